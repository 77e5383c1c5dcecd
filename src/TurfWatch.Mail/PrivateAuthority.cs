using System.Net.Security;
using System.Security.Cryptography.X509Certificates;
using MailKit;

namespace TurfWatch.Mail;

/// <summary>Lets a mail server show a certificate that a private authority signed.</summary>
internal static class PrivateAuthority
{
    /// <param name="file">The authority's certificate (PEM); empty means that the system's authorities are trusted.</param>
    public static void Trust(IMailService client, string file)
    {
        if (file.Length == 0)
        {
            return;
        }

        var authority = X509CertificateLoader.LoadCertificateFromFile(file);
        client.ServerCertificateValidationCallback = (_, certificate, _, errors) =>
        {
            if (
                certificate is not X509Certificate2 leaf
                || (errors & ~SslPolicyErrors.RemoteCertificateChainErrors) != SslPolicyErrors.None
            )
            {
                return false;
            }

            using var chain = new X509Chain();
            chain.ChainPolicy.TrustMode = X509ChainTrustMode.CustomRootTrust;
            chain.ChainPolicy.CustomTrustStore.Add(authority);
            chain.ChainPolicy.RevocationMode = X509RevocationMode.NoCheck;
            return chain.Build(leaf);
        };
    }
}
