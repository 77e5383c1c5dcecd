using System.Security.Cryptography;

namespace TurfWatch.Mail.Signing;

/// <summary>The private key of the signature, and the record by which others learn its public half.</summary>
public sealed class DkimKey
{
    /// <summary>RFC 8301, 3.2: signers use at least 2048 bits.</summary>
    private const int LeastBits = 2048;

    /// <summary>RFC 1035, 3.3: longest string of a TXT record; a value may be made of several.</summary>
    private const int LongestString = 255;

    private readonly RSAParameters _key;

    private DkimKey(RSAParameters key, byte[] publicInfo)
    {
        _key = key;
        RecordValue = $"v=DKIM1; k=rsa; p={Convert.ToBase64String(publicInfo)}";
    }

    /// <summary>The value of the TXT record to publish (RFC 6376, 3.6.1).</summary>
    public string RecordValue { get; }

    /// <summary>The name of the TXT record.</summary>
    public static string RecordName(DkimOptions options) =>
        $"{options.Selector}._domainkey.{options.Domain}";

    /// <summary>The record as a line of a zone file.</summary>
    public string ZoneLine(DkimOptions options) =>
        $"{RecordName(options)}. IN TXT ( {string.Join(' ', RecordValue.Chunk(LongestString).Select(part => $"\"{new string(part)}\""))} )";

    /// <exception cref="InvalidDataException">The file does not hold such a key.</exception>
    public static DkimKey Load(string file)
    {
        using var rsa = RSA.Create();
        try
        {
            rsa.ImportFromPem(File.ReadAllText(file));
            if (rsa.KeySize < LeastBits)
            {
                throw new InvalidDataException(
                    $"an RSA key of {rsa.KeySize} bits; receivers want at least {LeastBits}: make one with 'openssl genrsa -out dkim.pem {LeastBits}'"
                );
            }

            return new(
                rsa.ExportParameters(includePrivateParameters: true),
                rsa.ExportSubjectPublicKeyInfo()
            );
        }
        catch (Exception e) when (e is CryptographicException or ArgumentException)
        {
            throw new InvalidDataException(
                $"which holds no private RSA key (PEM, without a passphrase): make one with 'openssl genrsa -out dkim.pem {LeastBits}'",
                e
            );
        }
    }

    /// <summary>What is wrong with the file, or null.</summary>
    internal static string? FaultOf(string file)
    {
        try
        {
            Load(file);
            return null;
        }
        catch (InvalidDataException e)
        {
            return e.Message;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return "which does not exist or cannot be read; write the path of a readable file";
        }
    }

    /// <summary>A new signer of its own state: one RSA object is not for several threads at once.</summary>
    internal RSA Open() => RSA.Create(_key);
}
