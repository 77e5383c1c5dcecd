using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace TurfWatch.Testing;

/// <summary>An authority for certificates that a test makes for itself, and that nobody else trusts.</summary>
public sealed class TestAuthority : IDisposable
{
    private readonly ECDsa _key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
    private readonly X509Certificate2 _own;
    private readonly DateTimeOffset _now = TimeProvider.System.GetUtcNow();

    public TestAuthority()
    {
        var request = new CertificateRequest("CN=Test authority", _key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(
            new X509BasicConstraintsExtension(true, false, 0, critical: true)
        );
        _own = request.CreateSelfSigned(_now.AddDays(-10), _now.AddDays(10));
    }

    /// <summary>Its own certificate, which a client is told to trust.</summary>
    public string Pem => _own.ExportCertificatePem();

    /// <summary>A server's certificate with its key, for one host name.</summary>
    /// <param name="name">The name.</param>
    /// <param name="validFor">How long from now on; less than nothing for one that is over.</param>
    public X509Certificate2 Issue(string name, TimeSpan validFor)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest($"CN={name}", key, HashAlgorithmName.SHA256);
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName(name);
        request.CertificateExtensions.Add(names.Build());
        using var bare = request.Create(_own, _now.AddDays(-5), _now + validFor, [1, 2, 3, 4]);
        using var whole = bare.CopyWithPrivateKey(key);
        return X509CertificateLoader.LoadPkcs12(
            whole.Export(X509ContentType.Pkcs12),
            null,
            X509KeyStorageFlags.Exportable
        );
    }

    public void Dispose()
    {
        _own.Dispose();
        _key.Dispose();
    }
}
